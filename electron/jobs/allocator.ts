/** Environment of the process that measures, for glibc: few arenas, and large blocks straight from the system, so that pixels that were let go do not stay. */
export const ALLOCATOR = { MALLOC_ARENA_MAX: '2', MALLOC_MMAP_THRESHOLD_: '262144' } as const;
