"""One job file in, one plan out."""
