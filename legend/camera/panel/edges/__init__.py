"""Place the edge of a panel from the light across it: the step, the bevel, the shadow."""
