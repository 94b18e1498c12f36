import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { massingGlb } from '../../src/files/index.ts';
import { buildScene, parseProperty } from '../../src/scene/index.ts';

const cut = (text: string) => {
  const parsed = parseProperty(text);
  if (!parsed.ok) throw new Error(parsed.errors[0]?.reason);
  return parsed.document;
};
const demo = cut(readFileSync(join(import.meta.dirname, '../../demo/brick-two-storey/brick-two-storey.property.json'), 'utf8'));

interface Gltf {
  asset: { version: string };
  nodes: { name?: string; mesh?: number; extras?: Record<string, unknown> }[];
  meshes: { primitives: { attributes: { POSITION: number }; material: number }[] }[];
  accessors: { count: number; bufferView: number; byteOffset?: number; min?: number[]; max?: number[] }[];
  bufferViews: { byteOffset?: number; byteLength: number }[];
  materials: { name: string; pbrMetallicRoughness: { baseColorFactor?: number[]; metallicFactor: number } }[];
}

/** Header and chunks as Khronos glTF 2.0, section 4.4 "Binary glTF layout" asks. */
function readGlb(bytes: Uint8Array): { json: Gltf; bin: DataView } {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  expect(view.getUint32(0, true)).toBe(0x46546c67);
  expect(view.getUint32(4, true)).toBe(2);
  expect(view.getUint32(8, true)).toBe(bytes.length);
  const length = view.getUint32(12, true);
  expect(view.getUint32(16, true)).toBe(0x4e4f534a);
  const json = JSON.parse(new TextDecoder().decode(bytes.subarray(20, 20 + length))) as Gltf;
  const binAt = 20 + length;
  expect(view.getUint32(binAt + 4, true)).toBe(0x004e4942);
  return { json, bin: new DataView(bytes.buffer, bytes.byteOffset + binAt + 8, view.getUint32(binAt, true)) };
}

describe('massing as binary glTF', () => {
  it('a box of 2 × 3 × 4 m has its 52 m², its reflectance and its place, in metres', async () => {
    const part = { kind: 'box', id: 'box', name: '', centre: [5, 1.5, -2], sizeM: [2, 3, 4], material: { reflectance: 0.4 } };
    const document = cut(JSON.stringify({ ...demo, ...BARE, buildings: [{ id: 'b', name: 'b', parts: [part] }] }));
    const { json, bin } = readGlb(await glbOf(document));
    expect(json.asset.version).toBe('2.0');
    const node = json.nodes.findIndex((n) => n.name === 'box');
    expect(node).toBeGreaterThanOrEqual(0);
    const mesh = json.meshes.find((m) => json.materials[m.primitives[0]!.material]?.name === 'bare-0.4');
    const accessor = json.accessors[mesh!.primitives[0]!.attributes.POSITION]!;
    expect(accessor.min?.map((v) => Math.round(v * 1e4) / 1e4)).toEqual([4, 0, -4]);
    expect(accessor.max?.map((v) => Math.round(v * 1e4) / 1e4)).toEqual([6, 3, 0]);
    const at = (json.bufferViews[accessor.bufferView]!.byteOffset ?? 0) + (accessor.byteOffset ?? 0);
    let areaM2 = 0;
    for (let v = 0; v < accessor.count; v += 3) areaM2 += areaAt(bin, at + v * 12);
    expect(areaM2).toBeCloseTo(52, 4);
    const { baseColorFactor, metallicFactor } = json.materials[mesh!.primitives[0]!.material]!.pbrMetallicRoughness;
    for (const k of [0, 1, 2]) expect(baseColorFactor![k]).toBeCloseTo(0.4, 4);
    expect(metallicFactor).toBe(0);
  });

  it('carries the demo: parts by name, leaves, limbs, panes, and says that it is invented', async () => {
    const { json } = readGlb(await glbOf({ ...demo, planting: demo.planting.slice(0, 1) }));
    const names = json.nodes.map((n) => n.name);
    expect(names).toContain('front');
    expect(names).toContain(demo.planting[0]!.id);
    expect(json.nodes.find((n) => n.name === demo.name)?.extras).toMatchObject({ units: 'metre', up: '+Y', invented: true });
    expect(json.materials.some((m) => m.name === 'glass')).toBe(true);
    expect(json.materials.some((m) => m.name.startsWith('leaves of'))).toBe(true);
  });
});

const BARE = {
  planting: [],
  ground: { levels: [], patches: [] },
  viewpoints: [],
  services: [],
  powerSites: [],
  questions: [],
  receivers: [],
  schemes: [],
};

async function glbOf(document: typeof demo): Promise<Uint8Array> {
  const blob = await massingGlb(buildScene(document), { property: document.name, invented: document.site.invented });
  return new Uint8Array(await blob.arrayBuffer());
}

function areaAt(view: DataView, at: number): number {
  const p = [0, 1, 2].map((v) => [0, 1, 2].map((k) => view.getFloat32(at + v * 12 + k * 4, true)));
  const e = (i: number, k: number) => p[i]![k]! - p[0]![k]!;
  const [x, y, z] = [
    e(1, 1) * e(2, 2) - e(1, 2) * e(2, 1),
    e(1, 2) * e(2, 0) - e(1, 0) * e(2, 2),
    e(1, 0) * e(2, 1) - e(1, 1) * e(2, 0),
  ];
  return Math.hypot(x, y, z) / 2;
}
