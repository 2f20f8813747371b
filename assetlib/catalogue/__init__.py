"""The SQLite catalogue: tables, sessions, the full-text index and reads."""
