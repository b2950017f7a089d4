// The ground as a grid of points, row by row: its height anywhere, and its triangles.

/** @param {any} scene */
export function groundOf(scene) {
  const points = scene.ground;
  const columns = scene.ground_columns;
  const rows = columns > 1 ? Math.floor(points.length / columns) : 0;
  if (rows < 2) return { points, columns, rows: 0, height: () => 0, triangles: new Uint32Array(0) };
  const first = points[0], last = points[rows * columns - 1];
  const share = (value, from, to, cells) => {
    const t = to === from ? 0 : ((value - from) / (to - from)) * cells;
    return Math.min(Math.max(t, 0), cells);
  };
  /** Between the points straight; beyond them as at the edge. */
  const height = (x, y) => {
    const a = share(x, first[0], last[0], columns - 1), b = share(y, first[1], last[1], rows - 1);
    const i = Math.min(Math.floor(a), columns - 2), j = Math.min(Math.floor(b), rows - 2);
    const z = (di, dj) => points[(j + dj) * columns + i + di][2];
    const [p, q] = [a - i, b - j];
    return (1 - q) * ((1 - p) * z(0, 0) + p * z(1, 0)) + q * ((1 - p) * z(0, 1) + p * z(1, 1));
  };
  return { points, columns, rows, height, triangles: triangles(columns, rows) };
}

function triangles(columns, rows) {
  const found = new Uint32Array((columns - 1) * (rows - 1) * 6);
  let k = 0;
  for (let j = 0; j + 1 < rows; j++)
    for (let i = 0; i + 1 < columns; i++) {
      const a = j * columns + i;
      found.set([a, a + 1, a + columns + 1, a, a + columns + 1, a + columns], k);
      k += 6;
    }
  return found;
}
