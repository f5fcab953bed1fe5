"""Find how pieces of film letters lie, and which of them are missing, exchanged or upside down."""
