"""Tell what was measured of a panel: as a value, as a hole list, as a picture, in words."""
