// Stands in for VS Code's native logger, which would have to be compiled. The Output panel shows what is written here.
const { appendFileSync, mkdirSync } = require('node:fs');
const { dirname } = require('node:path');

class Logger {
    constructor(file) {
        this.file = file;
        this.level = 2;
        this.raw = false;
        mkdirSync(dirname(file), { recursive: true });
    }
    getLevel() {
        return this.level;
    }
    setLevel(level) {
        this.level = level;
    }
    setPattern() {}
    clearFormatters() {
        this.raw = true;
    } // an output channel: the text as it is
    flush() {}
    drop() {}
}
['trace', 'debug', 'info', 'warn', 'error', 'critical'].forEach((name, level) => {
    Logger.prototype[name] = function (text) {
        if (level < this.level) return;
        appendFileSync(
            this.file,
            this.raw ? text : `${new Date().toISOString().replace(/[TZ]/g, ' ').trim()} [${name}] ${text}\n`,
        );
    };
});
exports.setFlushOn = () => {};
exports.setLevel = () => {};
exports.createRotatingLogger = async (_name, file) => new Logger(file);
exports.createAsyncRotatingLogger = async (_name, file) => new Logger(file);
