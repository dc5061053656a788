"""Irradiance over level planes: maps, their lines and bands, zones."""
