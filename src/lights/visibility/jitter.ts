/** Rays a shadow edge is smoothed with. */
export const RAYS = 12;
/** When the first rays, one near each corner of the texel, agree, the rest are spared. */
export const FIRST_RAYS = 4;
const CORNERS = [-0.4, -0.4, 0.4, -0.4, -0.4, 0.4, 0.4, 0.4];

/** Fixed jitter: texel (a, b) in −½…½, corners first, then an R2 sequence; lens disc (x, y) by a spiral. 4 numbers a ray. */
export const JITTER = Float64Array.from(
  Array.from({ length: RAYS }, (_, k) => {
    const radius = Math.sqrt((((k * 5) % RAYS) + 0.5) / RAYS);
    const angle = k * Math.PI * (3 - Math.sqrt(5));
    return [
      k < FIRST_RAYS ? CORNERS[k * 2]! : ((0.5 + (k + 1) * 0.7548776662466927) % 1) - 0.5,
      k < FIRST_RAYS ? CORNERS[k * 2 + 1]! : ((0.5 + (k + 1) * 0.5698402909980532) % 1) - 0.5,
      radius * Math.cos(angle),
      radius * Math.sin(angle),
    ];
  }).flat(),
);
