import { type ReactNode, useEffect, useRef } from 'react';
import { createPortal } from 'react-dom';

/**
 * Panel over the page with a name; Escape and its button close it, focus returns to where it was. It hangs on the body: on
 * paper the rest of the page is left out.
 */
export function Plate(props: { name: string; className?: string; onClose(): void; children: ReactNode }) {
  const ref = useRef<HTMLDialogElement>(null);
  const { onClose } = props;
  useEffect(() => {
    const dialog = ref.current;
    const opener = document.activeElement instanceof HTMLElement ? document.activeElement : undefined;
    if (dialog && !dialog.open) dialog.showModal();
    return () => {
      dialog?.close();
      opener?.focus();
    };
  }, []);
  return createPortal(
    <dialog
      ref={ref}
      className={`plate ${props.className ?? ''}`}
      aria-label={props.name}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onPointerDown={(event) => {
        if (event.target === ref.current) onClose();
      }}
    >
      <div className="plate-body">
        <header className="plate-head">
          <h2>{props.name}</h2>
          <button type="button" onClick={onClose}>
            Close
          </button>
        </header>
        {props.children}
      </div>
    </dialog>,
    document.body,
  );
}
