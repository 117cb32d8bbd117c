import { decode, largest, type Text } from '../workspace/read.js';

/** The whole of standard input as text, or one sentence that says why not. */
export async function readStandardInput(): Promise<Text | string> {
    const chunks: Buffer[] = [];
    let size = 0;
    for await (const chunk of process.stdin) {
        chunks.push(chunk);
        size += chunk.length;
        if (size > largest) break;
    }
    return decode(Buffer.concat(chunks));
}
