"""Print a page to photograph a panel on, and tell by it how a photograph sees the panel."""
