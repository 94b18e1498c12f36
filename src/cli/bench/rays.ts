import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import { createCaster } from '../../lights/index.ts';
import type { PropertyDocument } from '../../scene/index.ts';
import { buildScene } from '../../scene/index.ts';
import { median } from './median.ts';
import { benchProperty } from './property.ts';

/**
 * Any-hit shadow rays a second ÷ three-mesh-bvh `raycastFirst`, same rays, same thread: from points of the ground and
 * walls toward the lamps, in order along the faces. Interleaved rounds, median of the ratios.
 */
export function benchRays(demo: PropertyDocument): Record<string, number> {
  const document = benchProperty(demo, 60);
  const scene = buildScene(document);
  const caster = createCaster(scene);
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(scene.occluders.positionsM, 3));
  const rival = new MeshBVH(geometry);
  const rays = shadowRays(document, 60_000);
  const ratios: number[] = [];
  let oursPerSecond = 0;
  const hits = new Uint8Array(rays.length / 7);
  const ray = new Ray();
  for (let round = 0; round < 5; round++) {
    let t = performance.now();
    caster.blockedMany(rays, hits);
    const ours = performance.now() - t;
    t = performance.now();
    for (let i = 0; i < rays.length; i += 7) {
      ray.origin.set(rays[i]!, rays[i + 1]!, rays[i + 2]!);
      ray.direction = new Vector3(rays[i + 3]!, rays[i + 4]!, rays[i + 5]!);
      rival.raycastFirst(ray, DoubleSide, 0, rays[i + 6]!);
    }
    ratios.push((performance.now() - t) / ours);
    oursPerSecond = Math.max(oursPerSecond, rays.length / 7 / (ours / 1000));
  }
  return { raysOverThreeMeshBvh: median(ratios), megaraysPerSecond: oursPerSecond / 1e6 };
}

/** Origin (3), unit direction (3), length (1) each. */
function shadowRays(document: PropertyDocument, count: number): Float32Array {
  const lamps = document.schemes[0]!.fixtures;
  const rays = new Float32Array(count * 7);
  for (let i = 0; i < count; i++) {
    const lamp = lamps[Math.floor(i / 1000) % lamps.length]!.at;
    const k = i % 1000;
    const from = [lamp[0] - 4 + 0.008 * k, 0.02 + ((k * 37) % 560) / 100, lamp[2] - 4 + 8 * ((k * 0.618034) % 1)];
    const d = [lamp[0] - from[0]!, lamp[1] - from[1]!, lamp[2] - from[2]!];
    const length = Math.hypot(...d);
    rays.set([...from, d[0]! / length, d[1]! / length, d[2]! / length, length], i * 7);
  }
  return rays;
}
