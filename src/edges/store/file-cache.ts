import type { OwnerFile } from '../../core/mod.ts';

interface Kept {
  revision: number;
  file: OwnerFile;
}

/** Files of owners who wrote lately, a few hundred; each is some kilobytes. */
const KEPT_FILES = 500;

/**
 * Owners' files by revision, so that a turn reads one row instead of six tables. Every change of a file raises its
 * owner's revision in the same transaction, also from another process, so a kept file is used only while it is the
 * present one. Files are values: nobody changes one after it was handed out.
 */
export class FileCache {
  readonly #kept = new Map<string, Kept>();

  get(ownerId: string, revision: number): OwnerFile | undefined {
    const kept = this.#kept.get(ownerId);
    return kept?.revision === revision ? kept.file : undefined;
  }

  keep(ownerId: string, kept: Kept): void {
    this.#kept.delete(ownerId);
    this.#kept.set(ownerId, kept);
    if (this.#kept.size <= KEPT_FILES) return;
    for (const oldest of this.#kept.keys()) {
      this.#kept.delete(oldest);
      return;
    }
  }
}

/** What one transaction read and wrote; the others see it after the commit. */
export class FilesInHand {
  readonly #cache: FileCache;
  #files = new Map<string, Kept>();

  constructor(cache: FileCache) {
    this.#cache = cache;
  }

  get(ownerId: string, revision: number): OwnerFile | undefined {
    const inHand = this.#files.get(ownerId);
    return inHand?.revision === revision ? inHand.file : this.#cache.get(ownerId, revision);
  }

  /** The revision that a file was read at, where it was read in this transaction. */
  revisionOf(file: OwnerFile): number | undefined {
    const inHand = this.#files.get(file.owner.id);
    return inHand?.file === file ? inHand.revision : undefined;
  }

  put(ownerId: string, revision: number, file: OwnerFile): void {
    this.#files.set(ownerId, { revision, file });
  }

  /** For a savepoint: what was in hand before it, to go back to. */
  snapshot(): () => void {
    const before = new Map(this.#files);
    return () => {
      this.#files = before;
    };
  }

  committed(): void {
    for (const [ownerId, kept] of this.#files) this.#cache.keep(ownerId, kept);
  }
}
