#!/usr/bin/env node
import { nodeHost } from './host'
import { run } from './run'

process.exitCode = run(process.argv.slice(2), nodeHost)
