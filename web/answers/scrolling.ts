import { useEffect, useState } from "preact/hooks";

/** A frame to hang on an element, and whether its content is wider than it; such a frame must be reachable by keyboard. */
export function useScrolling(): {
  readonly frame: (element: HTMLDivElement | null) => void;
  readonly scrolls: boolean;
} {
  const [element, setElement] = useState<HTMLDivElement | null>(null);
  const [scrolls, setScrolls] = useState(false);
  useEffect(() => {
    if (element === null) return;
    const observer = new ResizeObserver(() => setScrolls(element.scrollWidth > element.clientWidth + 1));
    // its content may grow within a frame that stays as wide as it is
    for (const one of [element, ...element.children]) observer.observe(one);
    return () => observer.disconnect();
  }, [element]);
  return { frame: setElement, scrolls };
}
