import type { DragEvent } from 'react';

interface FileDrop {
  onDragOver(event: DragEvent<HTMLElement>): void;
  onDrop(event: DragEvent<HTMLElement>): void;
}

/** Handlers that take one dropped file; whatever is no file is left to the browser. */
export function fileDrop(take: (file: File, event: DragEvent<HTMLElement>) => void): FileDrop {
  return {
    onDragOver(event) {
      if (!event.dataTransfer.types.includes('Files')) return;
      event.preventDefault();
      event.dataTransfer.dropEffect = 'copy';
    },
    onDrop(event) {
      const file = event.dataTransfer.files[0];
      if (!file) return;
      event.preventDefault();
      event.stopPropagation();
      take(file, event);
    },
  };
}
