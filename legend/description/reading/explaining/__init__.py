"""Say what is wrong in a description: where, what it was meant as, what to write."""
