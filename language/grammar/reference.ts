/** References between nodes: built by the parser, resolved by names/, read by everybody as `reference.ref`. */
import type { AstNode, CstNode, Linker, LinkingError, MultiReference, Reference } from 'langium';

/** A reference of the tree. `container` and `property` say what it stands in; names/ sets `ref`. */
export interface NameReference extends Reference {
    ref: AstNode | undefined;
    readonly container: AstNode;
    readonly property: string;
}

/**
 * Only builds. Resolving is done for a whole project at once and without waiting, where Langium's own linker goes
 * through documents, an index and promises.
 */
export class ReferenceBuilder implements Linker {
    /** Of the text parsed last, in the order of the text. */
    built: NameReference[] = [];

    buildReference(container: AstNode, property: string, refNode: CstNode | undefined, refText: string): Reference {
        const reference: NameReference = { $refText: refText, $refNode: refNode, ref: undefined, container, property };
        this.built.push(reference);
        return reference;
    }

    buildMultiReference(): MultiReference {
        throw new Error('The grammar has no reference to several nodes.');
    }

    link(): Promise<void> {
        return Promise.resolve();
    }

    unlink(): void {}

    getCandidate(info: { reference: Reference | MultiReference; container: AstNode; property: string }): LinkingError {
        return { info, message: 'References are resolved for a whole project, by parseProject.' } as LinkingError;
    }

    getCandidates(info: { reference: Reference | MultiReference; container: AstNode; property: string }): LinkingError {
        return this.getCandidate(info);
    }
}
