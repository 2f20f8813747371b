"""Demo drawings for two invented spots, and the pen that draws them. Made by `python -m demo_assets.draw`."""
