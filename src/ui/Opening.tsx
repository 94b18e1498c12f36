import { useEffect, useState } from 'react';
import { AppFrame } from './App.tsx';
import type { App } from './state/app.ts';
import { AppContext } from './state/context.tsx';
import { startApp } from './state/start.ts';

/** Opens the last property, or the invented demo on a first visit; what went wrong is said in one sentence. */
export function Opening() {
  const [app, setApp] = useState<App>();
  const [trouble, setTrouble] = useState<string>();
  useEffect(() => {
    let gone = false;
    let stop: (() => void) | undefined;
    startApp().then(
      (started) => {
        if (gone) started.stop();
        else {
          stop = started.stop;
          setApp(started.app);
        }
      },
      (error: unknown) => setTrouble(error instanceof Error ? error.message : String(error)),
    );
    return () => {
      gone = true;
      stop?.();
    };
  }, []);
  if (trouble) {
    return (
      <main className="opening">
        <h1>Gloaming could not open its first property</h1>
        <p>{trouble}</p>
      </main>
    );
  }
  if (!app)
    return (
      <main className="opening" aria-busy="true">
        Opening
      </main>
    );
  return (
    <AppContext.Provider value={app}>
      <AppFrame />
    </AppContext.Provider>
  );
}
