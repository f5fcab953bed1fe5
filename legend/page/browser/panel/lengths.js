/** Say lengths in the units of the panel, and find steps for its rules. */

export const INCH = 25.4;
/** An inch fraction says a length where it lies within so many mm of it. */
const FRACTION_WITHIN = 0.02;

function mixed(parts, of) {
  let [top, bottom] = [Math.abs(parts), of];
  while (top % 2 === 0 && bottom > 1) [top, bottom] = [top / 2, bottom / 2];
  const whole = Math.floor(top / bottom);
  const left = top - whole * bottom;
  const sign = parts < 0 ? "−" : "";
  if (left === 0) return `${sign}${whole}`;
  return whole ? `${sign}${whole} ${left}/${bottom}` : `${sign}${left}/${bottom}`;
}

const decimal = (value, decimals) => (Number(value.toFixed(decimals)) + 0).toString().replace("-", "−");

/** A length with its unit: to a tenth of a mm; as a fraction of an inch, or to a thousandth. */
export function said(mm, units) {
  if (units !== "in") return `${decimal(mm, 1)} mm`;
  const parts = Math.round((mm / INCH) * 64);
  const near = Math.abs((parts / 64) * INCH - mm) <= FRACTION_WITHIN;
  return `${near ? mixed(parts, 64) : decimal(mm / INCH, 3)} in`;
}

/** How far off something is read from: to a millimetre, or a tenth of an inch. */
export function distance(mm, units) {
  return units === "in" ? `${decimal(mm / INCH, 1)} in` : `${decimal(mm, 0)} mm`;
}

/** A length that is only pointed at, no finer than the screen shows it at `scale` pixels a mm. */
export function pointed(mm, units, scale) {
  if (units !== "in") return `${decimal(mm, scale >= 8 ? 1 : 0)} mm`;
  const of = scale >= 20 ? 64 : scale >= 8 ? 32 : 16;
  return `${mixed(Math.round((mm / INCH) * of), of)} in`;
}

/** Steps of the lines of a rule, in its unit, and of its figures. */
const LINES = {
  mm: [0.1, 0.5, 1, 5, 10, 50, 100, 500],
  in: [1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 6, 12],
};
const FIGURES = {
  mm: [1, 5, 10, 20, 50, 100, 200, 500, 1000],
  in: [1 / 4, 1 / 2, 1, 2, 3, 6, 12, 24, 48],
};

/** The steps of a rule at `scale` pixels a mm: of its finest lines, of longer ones, of figures. */
export function steps(units, scale) {
  const unit = units === "in" ? INCH : 1;
  const least = (list, pixels) => list.find((step) => step * unit * scale >= pixels) ?? list.at(-1);
  const fine = least(LINES[units], 4);
  const middle = least(LINES[units].filter((step) => step > fine), 14) ?? fine;
  return { fine: fine * unit, middle: middle * unit, figures: least(FIGURES[units], 42) * unit };
}

/** A figure on a rule. */
export function figure(mm, units) {
  return units === "in" ? mixed(Math.round((mm / INCH) * 64), 64) : decimal(mm, 1);
}
