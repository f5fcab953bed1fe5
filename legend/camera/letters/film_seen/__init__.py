"""Tell film from the base coat in a photograph: light of the panel in, its cover by film out."""
