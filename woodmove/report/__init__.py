"""One Answer in; a table, JSON or CSV out."""
