import { type Act, cautionOf } from '../../kit/index.ts';
import { Fold } from '../parts/controls.tsx';
import { Plate } from '../parts/Plate.tsx';
import { useApp, useScreen } from '../state/context.tsx';

const KEYS: readonly [string, string][] = [
  ['Arrows', 'look around; with the cross-hair, move it by 1°'],
  ['Shift + arrows, Page Up, Page Down', 'walk 0.25 m, raise or lower the eye (free view)'],
  ['+ −', 'nearer, farther'],
  ['V, Shift + V', 'next, previous view'],
  ['Home, End in a number field', 'its lowest and highest value; + adds, with many lights to each'],
  ['N, Shift + N', 'next, previous light; Enter opens it; Tab walks its handles'],
  ['F, Shift + F', 'next, previous finding'],
  ['A', 'add a light by host, set-back and aim height'],
  ['B', 'before or after'],
  ['H held', 'compare with the other side'],
  ['C, R', 'cross-hair reads a place, R pins the slip'],
  ['K', 'mark what is clipped'],
  ['L, Shift + L', 'lux map, luminance map'],
  ['[ ]', 'move the range of a map by one band'],
  ['P', 'picture, plan, both'],
  ['1, 2, 3', 'packages: Core, Full front, All round'],
  ['T', 'tags: off, selected, all'],
  ['M', 'fold the margin'],
  ['D', 'screen: Dark, Paper, Red'],
  ['Delete', 'remove the selected light'],
  ['Escape', 'one level out, always'],
  ['Ctrl + Z, Ctrl + Shift + Z', 'undo, redo'],
  ['Ctrl + K', 'find or do'],
  ['Ctrl + O, Ctrl + S', 'open, save a file'],
  ['Ctrl + Enter', 'show to client'],
  ['F6', 'walk the regions'],
];

const WORDS: readonly [string, string][] = [
  ['lux (lx)', 'light that lands on a surface, lumens a square metre'],
  ['candela a square metre (cd/m²)', 'how bright the surface looks: lux × reflectance ÷ 3.14'],
  ['beam', 'full angle inside which a lamp gives at least half its centre intensity'],
  ['set-back', 'distance from the wall to the middle of the lens'],
  ['EV', 'exposure at ISO 100; held, the same for both sides of a comparison'],
  ['hot spot', 'peak far above the mean of its strip'],
  ['VA', 'volt-amperes: watts ÷ power factor; what a transformer must carry'],
  ['×1.75', 'what if lamps draw more than they are marked; always listed beside the marked draw'],
  ['judging night', 'sun at −12°, no moon; findings hold for it whatever the picture shows'],
];

const ACTS: readonly Act[] = [
  'wiring',
  'outlet',
  'water',
  'trench',
  'roots',
  'treeMount',
  'height',
  'greatHeight',
  'heat',
  'splice',
  'nightWork',
  'neighbours',
  'publicUse',
  'picture',
];

/** Tour, keys, words, where the numbers come from, cautions, and the last messages. */
export default function Help() {
  const app = useApp();
  const messages = useScreen((s) => s.messages);
  return (
    <Plate name="Help" onClose={() => app.set({ overlay: 'none' })}>
      <button type="button" onClick={() => app.set({ overlay: 'none', tourStep: 0 })}>
        The tour, four sentences
      </button>
      <Fold title="Keys" note="letters only while the picture has focus" open>
        <Pairs pairs={KEYS} />
      </Fold>
      <Fold title="Words explained">
        <Pairs pairs={WORDS} />
      </Fold>
      <Fold title="Where the numbers come from">
        <p>
          Light adds: for each lamp the program works out what it alone brings to every place, shadows, leaves and bounced light
          included, and sums. Picture, slip, findings, sheets and the command line read this one field.
        </p>
        <p>
          Volts come from the cable network with lamps that draw constant power, solved exactly; where there is no operating point
          it says so.
        </p>
        <p>
          Each limit names its kind of source: published, from memory and to be verified, common practice without a source,
          computed, or your own. A figure stands above or below it; that is no certificate.
        </p>
      </Fold>
      <Fold title="Cautions">
        {ACTS.map((act) => (
          <p key={act} className="small">
            {cautionOf(act)}
          </p>
        ))}
      </Fold>
      <Fold title="Last messages" note={String(messages.length)}>
        <ol className="messages">
          {messages.map((m, i) => (
            <li key={`${m.at} ${i}`}>
              {m.at} {m.text}
            </li>
          ))}
        </ol>
      </Fold>
    </Plate>
  );
}

function Pairs({ pairs }: { pairs: readonly [string, string][] }) {
  return (
    <dl className="pairs">
      {pairs.map(([term, words]) => (
        <div key={term}>
          <dt>{term}</dt>
          <dd>{words}</dd>
        </div>
      ))}
    </dl>
  );
}
