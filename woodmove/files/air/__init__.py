"""Air on disk: loggers, weather files, tables, and the places that a user keeps."""
