"""Find how a photograph sees the panel by its holes: a Picture and Openings in, a View out."""
