"""What radiates, and what of it arrives: emitters, patterns, visibility, irradiance."""
