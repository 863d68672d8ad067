import type { ComponentChildren, ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';

/** A button with a panel that folds out. What is in the panel is made when it is opened, and goes when it is closed. */
export function Fold({
  name,
  words,
  children,
}: {
  name: string;
  words: string;
  children: () => ComponentChildren;
}) {
  const [isOpen, setOpen] = useState(false);
  return (
    <details class={`fold ${name}`} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{words}</summary>
      {isOpen && <div>{children()}</div>}
    </details>
  );
}

/**
 * A component whose code is loaded when it is first shown, so that the page is there sooner.
 */
export function lazily<P extends object>(load: () => Promise<ComponentType<P>>): ComponentType<P> {
  let loaded: ComponentType<P> | undefined;
  return function Lazy(props: P) {
    const [, redraw] = useState(0);
    useEffect(() => {
      if (loaded !== undefined) return;
      load().then(
        (component) => {
          loaded = component;
          redraw((n) => n + 1);
        },
        // Without the program there is no more code to be had; the link says so.
        () => {},
      );
    }, []);
    const Component = loaded;
    return Component === undefined ? null : <Component {...props} />;
  };
}
