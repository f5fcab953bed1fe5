"""Compute what the page shows: pictures, findings, what is picked, cut, completed and put in."""
