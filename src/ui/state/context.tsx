import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import { useShallow } from 'zustand/react/shallow';
import type { EditorState } from '../../editor/index.ts';
import type { App } from './app.ts';
import type { ScreenState } from './screen.ts';

export const AppContext = createContext<App | null>(null);

export function useApp(): App {
  const app = useContext(AppContext);
  if (!app) throw new Error('useApp is called outside the application');
  return app;
}

export function useEditorState<T>(select: (state: EditorState) => T): T {
  return useStore(useApp().editor.store, select);
}

export function useScreen<T>(select: (state: ScreenState) => T): T {
  return useStore(useApp().screen, useShallow(select));
}

/** The scheme on screen, or undefined in a property without one. */
export function useScheme() {
  return useEditorState((s) => s.document.schemes.find((scheme) => scheme.id === s.session.schemeId));
}
