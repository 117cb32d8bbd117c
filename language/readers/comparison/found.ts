import type { Span } from '../../findings/finding.js';
import type { Change, Guard, How, Kind } from './comparison.js';
import type { Node } from './nodes.js';

/** A change before it is known on how many aircraft and in how many calls, and what it brings. */
export interface Found extends Omit<Change, 'class' | 'times' | 'also' | 'only' | 'consequences'> {
    /** What of the part differs, where one part may differ in several ways of one kind. */
    readonly aspect: string;
    /** The parts of the card that it is about, on either side. */
    readonly nodes: { readonly old: readonly Node[]; readonly new: readonly Node[] };
}

interface Facts {
    readonly kind: Kind;
    readonly how: How;
    readonly says: string;
    readonly where: string;
    readonly old?: Span | undefined;
    readonly new?: Span | undefined;
    readonly lost?: Guard | null;
    readonly gained?: Guard | null;
    readonly about?: readonly string[];
    readonly aspect?: string;
    readonly nodes?: Found['nodes'];
}

export function found(facts: Facts): Found {
    return {
        kind: facts.kind,
        how: facts.how,
        says: facts.says,
        where: facts.where,
        span: { old: facts.old ?? null, new: facts.new ?? null },
        lost: facts.lost ?? null,
        gained: facts.gained ?? null,
        about: (facts.about ?? []).filter(Boolean),
        aspect: facts.aspect ?? '',
        nodes: facts.nodes ?? { old: [], new: [] },
    };
}
