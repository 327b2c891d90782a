import { type RefObject, useEffect, useState } from 'react';

/** Width of an element in whole px, 0 until it is known. */
export function useFieldWidth(place: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useEffect(() => {
    if (!place.current) return;
    const observer = new ResizeObserver(([entry]) => {
      setWidth(Math.floor(entry.contentRect.width));
    });
    observer.observe(place.current);
    return () => {
      observer.disconnect();
    };
  }, [place]);
  return width;
}
