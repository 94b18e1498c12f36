import { skyHorizontalLx } from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import { Choice, Range } from '../parts/controls.tsx';
import { useApp, useEditorState } from '../state/context.tsx';
import { degrees, figure } from '../state/format.ts';

/** Sun, moon, cloud and leaves of the picture. Findings hold for the judging night whatever stands here. */
export function TimePanel() {
  const app = useApp();
  const c = useEditorState((s) => s.session.conditions);
  const put = (patch: Partial<Conditions>) => app.editor.session({ conditions: { ...c, ...patch } });
  const surroundings = useEditorState((s) => s.document.site.surroundings);
  const lx = skyHorizontalLx(c, surroundings);
  const text = `sun ${degrees(c.sunAltitudeDeg)}, open sky ${figure(lx)} lx`;
  return (
    <>
      <Range
        label="Dusk to night"
        value={-c.sunAltitudeDeg}
        min={-2}
        max={18}
        step={0.5}
        text={text}
        onChange={(v) => put({ sunAltitudeDeg: -v })}
      />
      <div className="fields">
        <Choice
          label="Moon"
          value={c.moon}
          options={[
            ['none', 'none'],
            ['quarter', 'quarter'],
            ['full', 'full'],
          ]}
          onChoose={(moon) => put({ moon })}
        />
        <Choice
          label="Cloud"
          value={c.cloud}
          options={[
            ['clear', 'clear'],
            ['overcast', 'overcast'],
          ]}
          onChoose={(cloud) => put({ cloud })}
        />
        <Choice
          label="Season"
          value={c.leaves}
          options={[
            ['on', 'leaf-on'],
            ['bare', 'bare'],
          ]}
          onChoose={(leaves) => put({ leaves })}
        />
      </div>
      <p className="second small">Findings are judged at sun −12.0°, no moon, house lights as the owner leaves them.</p>
    </>
  );
}
