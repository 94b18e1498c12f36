import { lazy, Suspense } from 'react';
import { Tab, TabList, TabPanel, Tabs } from 'react-aria-components';
import type { MarginList } from '../../editor/index.ts';
import { openList } from '../state/actions.ts';
import { useApp, useEditorState } from '../state/context.tsx';
import { LIST_WORD } from '../state/words.ts';
import { Guard } from '../parts/Guard.tsx';
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
      <Tabs
        className="tabs"
        selectedKey={list}
        onSelectionChange={(key) => openList(app, key as MarginList)}
        keyboardActivation="manual"
      >
        <TabList className="lists-bar" aria-label="Lists">
          {LISTS.map((id) => (
            <Tab key={id} id={id} className="list-tab">
              {LIST_WORD[id]}
            </Tab>
          ))}
        </TabList>
        <TabPanel id={list} className="margin-content" key={list}>
          <div id="margin-content">
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
        </TabPanel>
      </Tabs>
    </aside>
  );
}
