/** Keeps one region's detail at hand while it is on screen. */
import { useEffect } from 'react';
import type { RegionDetail } from '../../electron/backend/api.ts';
import { useDetail } from '../api/store.ts';

interface Props {
  readonly ink: number;
  readonly region: string;
  readonly onDetail: (region: string, detail: RegionDetail | null) => void;
}

export function DetailWatch({ ink, region, onDetail }: Props) {
  const loaded = useDetail(ink, region);
  const detail = loaded.state === 'ready' ? loaded.value : null;
  useEffect(() => onDetail(region, detail), [region, detail, onDetail]);
  return null;
}
