"""The description made solid: frames, meshes, swept volumes, rays."""
