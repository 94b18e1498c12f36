import { createEmptyProperty } from '../../scene/index.ts';
import { Plate } from '../parts/Plate.tsx';
import { useApp } from '../state/context.tsx';
import { demos } from './demos.ts';
import { openDemo, openFileByPicker, showProperty } from './fileActions.ts';

/** Ways to begin. What this build cannot do yet is said, not shown as a button. */
export default function Start() {
  const app = useApp();
  return (
    <Plate name="Start" onClose={() => app.set({ overlay: 'none' })}>
      <div className="start-ways">
        {demos.map((demo) => (
          <button key={demo.fileName} type="button" onClick={() => void openDemo(app, demo)}>
            From a house like mine: {demo.name}, an invented example
          </button>
        ))}
        <button type="button" onClick={() => openFileByPicker(app)}>
          Open a file
        </button>
        <button type="button" onClick={() => void showProperty(app, createEmptyProperty('New property'))}>
          An empty property
        </button>
        <button
          type="button"
          onClick={() => {
            app.set({ overlay: 'none', tourStep: 0 });
          }}
        >
          The tour, four sentences
        </button>
      </div>
      <p className="second">From photos and the practice lessons are not part of this build yet.</p>
    </Plate>
  );
}
