"""Places as people write them: towns, coordinates, links, GPX files, photos, and their zones."""
