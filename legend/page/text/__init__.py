"""Hold the text of the description: what is typed, what the file says, and what is kept unsaved."""
