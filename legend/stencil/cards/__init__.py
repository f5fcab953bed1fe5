"""Plan the placement cards of a panel: Artwork and Sheets in, Cards out."""
