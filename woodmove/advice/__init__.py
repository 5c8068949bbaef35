"""One module per question; each returns an Answer. Nothing here reads a file or prints."""
