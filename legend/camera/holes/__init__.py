"""Find the holes of a panel in a picture, match them to a design, and tell how sure that is."""
