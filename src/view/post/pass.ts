import {
  BufferAttribute,
  BufferGeometry,
  GLSL3,
  HalfFloatType,
  LinearFilter,
  Mesh,
  OrthographicCamera,
  RGBAFormat,
  Scene,
  ShaderMaterial,
  type ShaderMaterialParameters,
  type Texture,
  WebGLRenderTarget,
  type WebGLRenderer,
} from 'three';
import { screenVertex } from './shaders.ts';

/** One triangle over the whole target, drawn with one program after another. */
export class ScreenPass {
  private readonly scene = new Scene();
  private readonly camera = new OrthographicCamera(-1, 1, 1, -1, 0, 1);
  private readonly mesh: Mesh;

  constructor() {
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3));
    this.mesh = new Mesh(geometry);
    this.mesh.frustumCulled = false;
    this.scene.add(this.mesh);
  }

  draw(renderer: WebGLRenderer, material: ShaderMaterial, target: WebGLRenderTarget | null): void {
    this.mesh.material = material;
    renderer.setRenderTarget(target);
    renderer.render(this.scene, this.camera);
  }

  compile(renderer: WebGLRenderer, material: ShaderMaterial): void {
    this.mesh.material = material;
    renderer.compile(this.scene, this.camera);
  }

  dispose(): void {
    this.mesh.geometry.dispose();
  }
}

export function screenMaterial(fragmentShader: string, uniforms: ShaderMaterialParameters['uniforms']): ShaderMaterial {
  return new ShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: screenVertex,
    fragmentShader,
    uniforms,
    depthTest: false,
    depthWrite: false,
    toneMapped: false,
  });
}

export function halfTarget(width: number, height: number, depthBuffer = false): WebGLRenderTarget {
  return new WebGLRenderTarget(width, height, {
    format: RGBAFormat,
    type: HalfFloatType,
    minFilter: LinearFilter,
    magFilter: LinearFilter,
    depthBuffer,
    generateMipmaps: false,
  });
}

/** Uniform cell for a texture that is set before each draw. */
export const textureCell = (): { value: Texture | null } => ({ value: null });
