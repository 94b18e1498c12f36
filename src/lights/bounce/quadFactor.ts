const above = new Float64Array(30);

/**
 * Configuration factor of a quadrilateral (12 numbers from `at`) at a point: Lambert's sum over its edges, cut at the
 * receiver's horizon. 0 behind it. The same formula as `polygonFactor`, without lists of its own for the many pairs of patches.
 *
 * @source J. H. Lambert, Photometria, 1760; as in Howell's catalogue of configuration factors.
 */
export function quadFactor(
  corners: Float64Array,
  at: number,
  emitterNormals: Float64Array,
  en: number,
  p: Float64Array,
  normals: Float64Array,
  pn: number,
): number {
  const [nx, ny, nz] = [normals[pn]!, normals[pn + 1]!, normals[pn + 2]!];
  const height =
    (p[0]! - corners[at]!) * emitterNormals[en]! +
    (p[1]! - corners[at + 1]!) * emitterNormals[en + 1]! +
    (p[2]! - corners[at + 2]!) * emitterNormals[en + 2]!;
  if (height <= 1e-7) return 0;
  let count = 0;
  for (let c = 0; c < 4; c++) {
    const a = at + c * 3;
    const b = at + ((c + 1) & 3) * 3;
    const [ax, ay, az] = [corners[a]! - p[0]!, corners[a + 1]! - p[1]!, corners[a + 2]! - p[2]!];
    const [bx, by, bz] = [corners[b]! - p[0]!, corners[b + 1]! - p[1]!, corners[b + 2]! - p[2]!];
    const ha = ax * nx + ay * ny + az * nz;
    const hb = bx * nx + by * ny + bz * nz;
    if (ha >= 0) {
      above[count++] = ax;
      above[count++] = ay;
      above[count++] = az;
    }
    if (ha >= 0 !== hb >= 0) {
      const k = ha / (ha - hb);
      above[count++] = ax + (bx - ax) * k;
      above[count++] = ay + (by - ay) * k;
      above[count++] = az + (bz - az) * k;
    }
  }
  let sum = 0;
  for (let i = 0; i < count; i += 3) {
    const j = i + 3 < count ? i + 3 : 0;
    const gx = above[i + 1]! * above[j + 2]! - above[i + 2]! * above[j + 1]!;
    const gy = above[i + 2]! * above[j]! - above[i]! * above[j + 2]!;
    const gz = above[i]! * above[j + 1]! - above[i + 1]! * above[j]!;
    const length = Math.sqrt(gx * gx + gy * gy + gz * gz);
    if (length < 1e-15) continue;
    const cos = above[i]! * above[j]! + above[i + 1]! * above[j + 1]! + above[i + 2]! * above[j + 2]!;
    sum += (Math.atan2(length, cos) * (gx * nx + gy * ny + gz * nz)) / length;
  }
  return Math.abs(sum) / (2 * Math.PI);
}
