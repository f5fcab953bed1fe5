"""See a panel that is no rectangle: round, a polygon, or from a drawing."""
