"""Stopping and failing the library's own work at any of its writes, in processes of their own."""
