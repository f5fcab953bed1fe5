"""Find long straight lines in a picture, and four of them that may be the sides of a panel."""
