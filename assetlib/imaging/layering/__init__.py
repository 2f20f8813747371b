"""Drawings and backdrops into layered files, and what a frame looks like when its layers lie over each other."""
