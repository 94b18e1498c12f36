import { describe, expect, it } from 'vitest';
import { createSession } from '../../src/editor/index.ts';
import { parseProperty, serialiseProperty } from '../../src/scene/index.ts';
import { testProperty } from './property.ts';

const openedAt = (sunAltitudeDeg?: number) => {
  const property = testProperty();
  return createSession({ ...property, site: { ...property.site, sunAltitudeDeg } }).conditions.sunAltitudeDeg;
};

describe('dusk at which the pictures of a property open', () => {
  // Civil twilight ends with the sun's centre 6° below the horizon (U.S. Naval Observatory, Rise, Set, and Twilight Definitions).
  it('is the end of civil twilight unless the site names another', () => expect(openedAt()).toBe(-6));

  it('is that of the site', () => expect(openedAt(-8.5)).toBe(-8.5));

  it('is kept by the file', () => {
    const property = testProperty();
    const text = serialiseProperty({ ...property, site: { ...property.site, sunAltitudeDeg: -8.5 } });
    const parsed = parseProperty(text);
    expect(parsed.ok && parsed.document.site.sunAltitudeDeg).toBe(-8.5);
  });

  it.each([-18.1, 2.1])('a sun at %s° is refused with its field named', (sunAltitudeDeg) => {
    const property = testProperty();
    const parsed = parseProperty(JSON.stringify({ ...property, site: { ...property.site, sunAltitudeDeg } }));
    expect(parsed.ok ? [] : parsed.errors.map((e) => e.path)).toEqual(['site.sunAltitudeDeg']);
  });
});
