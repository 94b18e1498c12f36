import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { createLightModel, type LightModel } from '../../src/lights/index.ts';
import { buildScene, type PropertyDocument, parseProperty } from '../../src/scene/index.ts';
import { judgeScheme } from '../../src/worker/index.ts';

/** A whole solve with bounces and a review; machines shared with other work take their time. */
const SLOWEST_MS = 300_000;

export const demoFolder = resolve(import.meta.dirname, '../../demo');

/** Tests of one demo property, by the name of its folder. One file a property, so that they run side by side. */
export function demoSuite(name: string): void {
  describe(`demo property ${name}`, () => {
    let document: PropertyDocument;
    let model: LightModel;
    beforeAll(() => {
      const parsed = parseProperty(readFileSync(join(demoFolder, name, `${name}.property.json`), 'utf8'));
      if (!parsed.ok) throw new Error(JSON.stringify(parsed.errors));
      document = parsed.document;
      model = createLightModel(buildScene(document), { surroundings: document.site.surroundings });
    }, SLOWEST_MS);

    it('is marked as invented', () => expect(document.site.invented).toBe(true));

    // Both directions: planted faults are found, and nothing else is.
    it.each(['good', 'flawed', 'empty'])(
      'scheme %s shows exactly its listed warns and stops',
      (schemeId) => {
        const scheme = document.schemes.find((s) => s.id === schemeId)!;
        const found = judgeScheme(model, document, schemeId)
          .findings.filter((f) => f.severity !== 'note')
          .map((f) => `${f.kind}: ${f.subject}`);
        expect(found.sort()).toEqual((scheme.expectedFindings ?? []).map((f) => `${f.kind}: ${f.subject}`).sort());
        if (schemeId === 'good') expect(found).toEqual([]);
      },
      SLOWEST_MS,
    );
  });
}
