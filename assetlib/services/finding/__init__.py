"""Finding drawings by words, pictures and sketches, and showing one in full.

Nothing here writes to the catalogue.
"""
