import { pgliteDatabase, sqliteDatabase } from './databases.ts';
import { privacyContract } from './privacy-contract.ts';

privacyContract('SQLite', sqliteDatabase);
privacyContract('pglite', pgliteDatabase);
