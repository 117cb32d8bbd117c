import { describe, expect, test } from 'vitest';
import { digestOf, sha256 } from '../../../language/vocabulary/digest.js';

describe('the digest of the texts of a card', () => {
    // FIPS 180-4, examples of the NIST Cryptographic Toolkit; the long one is NIST's "one million a".
    test.each([
        ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
        ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
        [
            'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
            '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
        ],
        ['a'.repeat(1_000_000), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
    ])('is SHA-256 as published (%#)', (text, hex) => {
        expect(sha256(text)).toBe(hex);
    });

    test('begins as sha256sum says of a single file', () => {
        expect(digestOf(['abc'])).toBe('ba78-16bf');
    });

    test('agrees with another implementation on text beyond ASCII, at every length around a block', async () => {
        const { createHash } = await import('node:crypto');
        for (let length = 0; length < 140; length++) {
            const text = 'é·–😀a'.repeat(28).slice(0, length).toWellFormed();
            expect(sha256(text)).toBe(createHash('sha256').update(text, 'utf8').digest('hex'));
        }
    });

    test('does not depend on the order of the files, line endings or a byte order mark', () => {
        const digest = digestOf(['card\nA\n', 'equipment\nB\n']);
        expect(digestOf(['equipment\nB\n', 'card\nA\n'])).toBe(digest);
        expect(digestOf(['\uFEFFcard\r\nA\r\n', 'equipment\r\nB\r\n'])).toBe(digest);
    });

    test('changes with any text', () => {
        const texts = ['card A', 'equipment B'];
        const digests = [
            texts,
            ['card A ', 'equipment B'],
            ['card A', 'equipment b'],
            ['card A'],
            ['card Aequipment B'],
        ].map(digestOf);
        expect(new Set(digests).size).toBe(digests.length);
    });

    test('holds for half a character, which no file can hold', () => {
        expect(digestOf(['a\ud800b'])).toBe(digestOf(['a\ufffdb']));
    });
});
