import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

/** A frame to hang on an element, and whether its content is wider than it; such a frame must be reachable by keyboard. */
export function useScrolling(): { readonly frame: RefObject<HTMLDivElement | null>; readonly scrolls: boolean } {
  const frame = useRef<HTMLDivElement>(null);
  const [scrolls, setScrolls] = useState(false);
  useEffect(() => {
    const element = frame.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setScrolls(element.scrollWidth > element.clientWidth + 1));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return { frame, scrolls };
}
