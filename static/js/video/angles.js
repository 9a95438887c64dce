// Angles between marked points, in degrees. Points are {x, y} in pixels of a frame, y counts downwards.
// The vertical is the dive line of the same frame, so the camera's roll is in no angle.

const DEGREES = 180 / Math.PI;

/**
 * The angle at `b` between the ways to `a` and to `c`: 180 when the three lie on a line.
 * @param {Point} a @param {Point} b @param {Point} c
 */
export function includedAngle(a, b, c) {
  return Math.abs(turn({ x: a.x - b.x, y: a.y - b.y }, { x: c.x - b.x, y: c.y - b.y }));
}

/** How far a joint is bent: 0 when it is straight. @param {Point} a @param {Point} b @param {Point} c */
export function flexion(a, b, c) {
  return 180 - includedAngle(a, b, c);
}

/**
 * The angle of the way from `p` to `q` against the way down the line: above 0 turned clockwise as the picture shows it.
 * @param {Point} p @param {Point} q @param {DiveLine} line
 */
export function tilt(p, q, line) {
  return turn({ x: line.low.x - line.top.x, y: line.low.y - line.top.y }, { x: q.x - p.x, y: q.y - p.y });
}

/** The angle from one direction to another, above -180 up to 180. @param {Point} from @param {Point} to */
export function turn(from, to) {
  return Math.atan2(from.x * to.y - from.y * to.x, from.x * to.x + from.y * to.y) * DEGREES;
}

/** The distance of two points. @param {Point} p @param {Point} q */
export function distance(p, q) {
  return Math.hypot(q.x - p.x, q.y - p.y);
}

/**
 * Where a point lies seen from `from`: `along` this direction, and `across` it, both in pixels.
 * @param {Point} point @param {Point} from @param {Point} direction of any length
 */
export function along(point, from, direction) {
  const length = Math.hypot(direction.x, direction.y);
  const [x, y] = [point.x - from.x, point.y - from.y];
  return {
    along: (x * direction.x + y * direction.y) / length,
    across: (direction.x * y - direction.y * x) / length,
  };
}
