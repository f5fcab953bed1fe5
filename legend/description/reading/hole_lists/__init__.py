"""Read the holes of a panel from lists and from drawings."""
