import {
  BufferGeometry,
  type DataTexture,
  DoubleSide,
  GLSL3,
  Group,
  InterleavedBuffer,
  InterleavedBufferAttribute,
  BufferAttribute,
  Mesh,
  ShaderMaterial,
} from 'three';
import type { SurfaceClass } from '../../materials/index.ts';
import type { TileRef } from '../../lights/index.ts';
import type { SceneModel } from '../../scene/index.ts';
import type { FieldUpdate } from '../../worker/index.ts';
import type { FieldTextures } from '../field/fieldTextures.ts';
import type { StageLayer, StageUniforms } from '../layer.ts';
import { LookTable } from './looks.ts';
import { ReliefTextures } from './reliefTextures.ts';
import { RELIEF_CLASSES, surfaceFragment, surfaceVertex } from './shader.ts';
import { type ClassGeometry, type ProgramClass, TileMeshes, VERTEX_NUMBERS } from './tileMeshes.ts';
import { variationTexture } from './variation.ts';

interface Context {
  scene: SceneModel;
  uniforms: StageUniforms;
  field: FieldTextures;
  requestDraw: () => void;
}

/** All flat faces of the property: one mesh and one program per surface class, lit by the field alone. */
export class SurfaceLayer implements StageLayer {
  readonly object3d = new Group();
  private readonly context: Context;
  private readonly looks: LookTable;
  private readonly meshes: TileMeshes;
  private readonly variation: DataTexture;
  private readonly materials = new Map<ProgramClass, ShaderMaterial>();
  private readonly reliefs = new Map<SurfaceClass, ReliefTextures>();
  private disposed = false;

  constructor(context: Context) {
    this.context = context;
    this.looks = new LookTable(context.scene);
    this.meshes = new TileMeshes(context.scene, this.looks);
    this.variation = variationTexture();
    this.setTiles([]);
  }

  setField(update: FieldUpdate): void {
    if (update.tiles) this.setTiles(update.tiles);
  }

  /** Reliefs follow the first picture, class by class, walls first. Settles when all are on the GPU's doorstep. */
  async fetchReliefs(): Promise<void> {
    const { reliefMaps, unitAndJoint } = await import('./lateRelief.ts');
    for (const surfaceClass of RELIEF_CLASSES) {
      const names = this.looks.reliefsOfClass(surfaceClass);
      if (names.length === 0) continue;
      const maps = await Promise.all(names.map(reliefMaps));
      if (this.disposed) return;
      const textures = new ReliefTextures(maps);
      this.reliefs.get(surfaceClass)?.dispose();
      this.reliefs.set(surfaceClass, textures);
      maps.forEach((entry, layer) => {
        this.looks.setRelief(surfaceClass, entry, layer, unitAndJoint);
      });
      for (const name of [surfaceClass, `${surfaceClass}+`] as const) {
        const material = this.materials.get(name);
        if (!material) continue;
        Object.assign(material.uniforms, textures.uniforms);
        material.fragmentShader = surfaceFragment(surfaceClass, name.endsWith('+'));
        material.needsUpdate = true;
      }
      this.context.requestDraw();
    }
  }

  dispose(): void {
    this.disposed = true;
    this.clear();
    for (const material of this.materials.values()) material.dispose();
    for (const textures of this.reliefs.values()) textures.dispose();
    this.looks.dispose();
    this.variation.dispose();
  }

  private setTiles(tiles: readonly TileRef[]): void {
    this.clear();
    for (const [surfaceClass, arrays] of this.meshes.build(tiles)) {
      const geometry = geometryOf(arrays);
      const mesh = new Mesh(geometry, this.materialOf(surfaceClass));
      // Walls before ground: what they hide of it is not shaded.
      mesh.renderOrder = surfaceClass === 'ground' ? -1 : -2;
      mesh.frustumCulled = false;
      this.object3d.add(mesh);
    }
  }

  private clear(): void {
    for (const child of this.object3d.children) if (child instanceof Mesh) child.geometry.dispose();
    this.object3d.clear();
  }

  private materialOf(program: ProgramClass): ShaderMaterial {
    const known = this.materials.get(program);
    if (known) return known;
    const { field, uniforms } = this.context;
    const isCrossed = program.endsWith('+');
    const surfaceClass = (isCrossed ? program.slice(0, -1) : program) as SurfaceClass;
    // Until the reliefs are here the plain program does, which all classes share.
    const relief = this.reliefs.get(surfaceClass);
    const material = new ShaderMaterial({
      name: `surface-${program}`,
      glslVersion: GLSL3,
      vertexShader: surfaceVertex,
      fragmentShader: surfaceFragment(surfaceClass, isCrossed, relief !== undefined),
      defines: surfaceClass === 'metal' ? { GLOSS: 1 } : {},
      // Backs are black: no sky shines through the hair cracks where pieces of a face meet.
      side: DoubleSide,
      toneMapped: false,
      // Behind walls that stand flush with a step in the ground.
      polygonOffset: surfaceClass === 'ground',
      polygonOffsetFactor: 1,
      polygonOffsetUnits: 2,
      uniforms: {
        ...field.uniforms,
        uOutput: uniforms.uOutput,
        uPlain: uniforms.uPlain,
        tLooks: { value: this.looks.texture },
        tVariation: { value: this.variation },
        ...relief?.uniforms,
      },
    });
    this.materials.set(program, material);
    return material;
  }
}

function geometryOf(arrays: ClassGeometry): BufferGeometry {
  const geometry = new BufferGeometry();
  const buffer = new InterleavedBuffer(arrays.vertices, VERTEX_NUMBERS);
  geometry.setAttribute('position', new InterleavedBufferAttribute(buffer, 3, 0));
  geometry.setAttribute('aAtlas', new InterleavedBufferAttribute(buffer, 2, 3));
  geometry.setAttribute('aPlace', new InterleavedBufferAttribute(buffer, 2, 5));
  geometry.setAttribute('aLook', new InterleavedBufferAttribute(buffer, 1, 7));
  geometry.setIndex(new BufferAttribute(arrays.indices, 1));
  return geometry;
}
