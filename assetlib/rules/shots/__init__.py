"""The grammar of shot lists: what a line says of shot, camera, view, people and place.

Text in, facts out.
"""
