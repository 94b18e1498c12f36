import { type KeyboardEvent, lazy, Suspense } from 'react';
import type { MarginList } from '../../editor/index.ts';
import { Guard } from '../parts/Guard.tsx';
import { openList } from '../state/actions.ts';
import { useApp, useEditorState } from '../state/context.tsx';
import { LIST_WORD } from '../state/words.ts';
import { LightsList } from './lights/LightsList.tsx';

const PropertyList = lazy(() => import('./property/PropertyList.tsx'));
const WiringList = lazy(() => import('./wiring/WiringList.tsx'));
const ReviewList = lazy(() => import('./review/ReviewList.tsx'));
const CompareList = lazy(() => import('./compare/CompareList.tsx'));
const SheetsList = lazy(() => import('./sheets/SheetsList.tsx'));

const LISTS = Object.keys(LIST_WORD) as MarginList[];

/** The notes beside the drawing: six lists. They change the list, never what a press in the picture does. */
export function Margin() {
  const app = useApp();
  const list = useEditorState((s) => s.session.list);
  return (
    <aside className="margin" aria-label="Margin">
      <div className="tabs">
        <div className="lists-bar" role="tablist" aria-label="Lists" onKeyDown={walkTabs}>
          {LISTS.map((id) => (
            <button
              key={id}
              type="button"
              role="tab"
              id={`tab-${id}`}
              className="list-tab"
              aria-selected={id === list}
              aria-controls="margin-content"
              tabIndex={id === list ? 0 : -1}
              onClick={() => openList(app, id)}
            >
              {LIST_WORD[id]}
            </button>
          ))}
        </div>
        <div className="margin-content" role="tabpanel" aria-labelledby={`tab-${list}`} id="margin-content" key={list}>
          <div>
            <h2 className="spoken">{LIST_WORD[list]}</h2>
            <Guard region="This list" key={list}>
              <Suspense fallback={<p className="second">Opening the list</p>}>
                {list === 'property' && <PropertyList />}
                {list === 'lights' && <LightsList />}
                {list === 'wiring' && <WiringList />}
                {list === 'review' && <ReviewList />}
                {list === 'compare' && <CompareList />}
                {list === 'sheets' && <SheetsList />}
              </Suspense>
            </Guard>
          </div>
        </div>
      </div>
    </aside>
  );
}

/** Arrows, Home and End move along the tabs; Enter or Space opens the one in focus. */
function walkTabs(event: KeyboardEvent<HTMLElement>): void {
  const tabs = [...event.currentTarget.querySelectorAll<HTMLElement>('[role="tab"]')];
  const at = tabs.indexOf(document.activeElement as HTMLElement);
  const to: Record<string, number> = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: tabs.length - 1 };
  const next = to[event.key];
  if (next === undefined) return;
  event.preventDefault();
  tabs[(next + tabs.length) % tabs.length]?.focus();
}
