import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative, resolve } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { house } from '../../server/build/fence.ts';

/** A file in a folder of the house; the other file when the place is a file itself. */
const inside = (place: string, name: string) => (place.endsWith('.ts') ? place : `${place}/${name}`);

test('an import of a lower folder fails, and one of a higher folder does not', () => {
    const expected: string[] = [];
    const files: Record<string, string> = {};
    house.forEach((from, index) => {
        house.forEach((to, other) => {
            if (from === to) return;
            const fromFile = inside(from.place, `from-${other}.ts`);
            const target = relative(dirname(fromFile), inside(to.place, 'target.js')).replace(/\.ts$/, '.js');
            const path = target.startsWith('.') ? target : `./${target}`;
            const line = `export { a${other} } from '${path}';`;
            files[fromFile] = `${files[fromFile] ?? ''}${line}\n`;
            if (other > index) expected.push(`${from.place} > ${to.place}`);
        });
    });
    const found = restricted(files).map(({ file, specifier }) => {
        const target = join(dirname(file), specifier);
        const place = (path: string) =>
            house.find(at => path.startsWith(at.place.replace(/\.ts$/, '.')) && isIn(path, at.place))?.place;
        return `${place(file)} > ${place(target)}`;
    });
    expect(found.sort()).toEqual(expected.sort());
});

test('a type, a re-export, a lazy import and a deep file are fenced like the rest', () => {
    const found = restricted({
        'language/machine/a.ts': "import type { a } from '../plan/plan.js';\nexport type b = typeof a;\n",
        'language/machine/deep/b.ts': "export const c = import('../../plan/plan.js');\n",
        'language/trace/c.ts': "export * from '../check.js';\n",
        'server/workspace/d.ts': "import '../command/check.js';\n",
        'language/names/e.ts': "import '../../server/workspace/read.js';\n",
        'language/names/f.ts': "import '../../tests/command/cotter.js';\n",
    });
    expect(found.map(({ file }) => file).sort()).toEqual([
        'language/machine/a.ts',
        'language/machine/deep/b.ts',
        'language/names/e.ts',
        'language/names/f.ts',
        'language/trace/c.ts',
        'server/workspace/d.ts',
    ]);
});

test('checks/ imports its own check.ts at any depth, and never the door behind it', () => {
    const files = {
        'language/checks/a.ts': "import './check.js';\nimport '../check.js';\n",
        'language/checks/time/b.ts': "import '../check.js';\nimport '../../check.js';\n",
        'language/checks/time/c/c.ts': "import '../../check.js';\nimport '../../../check.js';\n",
        'language/checks/text/d.ts': "import 'langium';\nimport '../check.js';\nimport '../../check.js';\n",
        'language/checks/text/e/e.ts': "import 'langium';\nimport '../../check.js';\nimport '../../../check.js';\n",
    };
    const found = restricted(files).map(({ file, specifier }) => join(dirname(file), specifier));
    expect(found).toEqual(Object.keys(files).map(() => 'language/check.js'));
});

test('language/ imports no editor, no protocol and no file system', () => {
    const packages = [
        'vscode',
        'vscode-languageserver',
        'node:fs',
        'fs',
        'path',
        'langium/lsp',
        'langium/node',
        'commander',
    ];
    const files = Object.fromEntries(
        house
            .filter(({ place }) => place.startsWith('language/'))
            .map(({ place }) => [inside(place, 'text.ts'), packages.map(name => `import '${name}';\n`).join('')]),
    );
    expect(restricted(files)).toHaveLength(Object.keys(files).length * packages.length);
});

test('langium is for the grammar, the names, the two compilers, the checks of text and the formatter', () => {
    const line = "import 'langium';\n";
    const may = [
        'language/grammar/a.ts',
        'language/names/a.ts',
        'language/machine/compile.ts',
        'language/machine/compile-rules.ts',
        'language/plan/lower.ts',
        'language/checks/text/unknown-name/check.ts',
        'language/format/a.ts',
    ];
    const mayNot = [
        'language/check.ts',
        'language/checks/time/a.ts',
        'language/machine/settle.ts',
        'language/plan/plan.ts',
        'language/trace/run.ts',
    ];
    const found = restricted(Object.fromEntries([...may, ...mayNot].map(file => [file, line])));
    expect(found.map(({ file }) => file).sort()).toEqual(mayNot);
});

test('pure types of findings may be imported from anywhere in language/', () => {
    const found = restricted({
        'language/machine/a.ts': "import type { Span } from '../findings/finding.js';\nexport type A = Span;\n",
        'language/machine/b.ts': "import '../findings/fold.js';\n",
    });
    expect(found.map(({ file }) => file)).toEqual(['language/machine/b.ts']);
});

function isIn(path: string, place: string): boolean {
    return place.endsWith('.ts')
        ? path === place.replace(/\.ts$/, '.js') || path === place
        : path.startsWith(`${place}/`);
}

/** The imports that the project's own lint refuses in a project made of these files. */
function restricted(files: Record<string, string>): { file: string; specifier: string }[] {
    const root = mkdtempSync(join(tmpdir(), 'cotter fence '));
    onTestFinished(() => rmSync(root, { recursive: true, force: true }));
    cpSync('server/build/fence.json', join(root, 'biome.json'));
    for (const [path, text] of Object.entries(files)) {
        mkdirSync(dirname(join(root, path)), { recursive: true });
        writeFileSync(join(root, path), text);
    }
    const biome = resolve('node_modules/@biomejs/biome/bin/biome');
    const args = [biome, 'lint', '--only=style/noRestrictedImports', '--reporter=json', '--max-diagnostics=none'];
    const done = spawnSync(process.execPath, args, { cwd: root, encoding: 'utf8', maxBuffer: 1 << 26 });
    const { diagnostics } = JSON.parse(done.stdout) as { diagnostics: Diagnostic[] };
    return diagnostics
        .filter(({ category }) => category === 'lint/style/noRestrictedImports')
        .map(({ location }) => {
            const text = files[location.path];
            const line = text.split('\n')[location.start.line - 1];
            return {
                file: location.path,
                specifier: line.slice(location.start.column - 1).match(/['"](.*?)['"]/)?.[1] ?? '',
            };
        });
}

interface Diagnostic {
    readonly category: string;
    readonly location: { readonly path: string; readonly start: { readonly line: number; readonly column: number } };
}
