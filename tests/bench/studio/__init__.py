"""A studio's library of 600 drawings and more, made by the demo's pens in other combinations, whose truth is known."""
