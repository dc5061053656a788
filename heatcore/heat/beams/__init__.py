"""Beams as bodies of light: where they land, and who is in them."""
