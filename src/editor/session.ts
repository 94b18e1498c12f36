import { eveningAt, openingSunDeg } from '../exposure/index.ts';
import type { CameraPose, PropertyDocument, ViewpointRecord } from '../scene/index.ts';
import type { SessionState } from './types.ts';

/** View from the mouth of the street, for a property that names no viewpoint yet. */
const STREET_MOUTH: CameraPose = { eye: [0, 1.6, 14], lookAt: [0, 2.4, 0], fieldDeg: 55 };

/** Camera that stands at a viewpoint's eye. */
export function cameraOf(viewpoint: ViewpointRecord): CameraPose {
  return { eye: viewpoint.eye, lookAt: viewpoint.lookAt, fieldDeg: viewpoint.fieldDeg };
}

/** Opening session of a property: first viewpoint, the property's own dusk and exposure, after. */
export function createSession(document: PropertyDocument, schemeId?: string): SessionState {
  const viewpoint = document.viewpoints[0];
  const wanted = document.schemes.find((scheme) => scheme.id === schemeId);
  const scheme = wanted ?? document.schemes.find((s) => s.id === 'good') ?? document.schemes[0];
  const feet = document.site.region === 'US';
  return {
    schemeId: scheme?.id ?? 'scheme-1',
    after: true,
    viewpointId: viewpoint?.id,
    camera: viewpoint ? cameraOf(viewpoint) : STREET_MOUTH,
    conditions: { ...eveningAt(document.site, openingSunDeg(document.site)), moon: 'none', cloud: 'clear', leaves: 'on' },
    ev100: document.site.ev100,
    evNote: 'held',
    list: 'lights',
    selection: { kind: 'none' },
    falseColour: 'off',
    maps: { lux: { shift: 0, only: undefined }, luminance: { shift: 0, only: undefined } },
    markClipped: false,
    adaptedCdM2: undefined,
    tags: 'selected',
    lengthSystem: feet ? 'feetInches' : 'metric',
    lightUnit: 'lx',
    trial: undefined,
  };
}
