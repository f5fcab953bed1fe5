"""Check how a panel is handled: switches thrown, knobs turned, fingers, and words read."""
