"""What the array yields: sun, sky, shade, modules, losses, battery."""
