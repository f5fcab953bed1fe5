/** Put a drawing together that was told by the one before it. */

/** The drawing that a `redrawing` tells, by the last one that came. */
export function redrawn({ drawing, shapes, stages }, last) {
  const whole = (stage) => (stage in stages ? between(stages[stage], last.stages[stage]) : last.stages[stage]);
  return {
    ...drawing,
    kind: "drawing",
    shapes: between(shapes, last.shapes),
    stages: Object.fromEntries(Object.keys(drawing.stages).map((stage) => [stage, whole(stage)])),
  };
}

function between({ begin, text, end }, last) {
  return last.slice(0, begin) + text + last.slice(last.length - end);
}
