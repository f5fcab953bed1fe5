"""See on the page what the camera saw: pictures taken in, measured, shown, and taken over."""
