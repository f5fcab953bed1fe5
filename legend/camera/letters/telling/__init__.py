"""Tell how laid letters lie: in whole sentences, and on their photograph."""
