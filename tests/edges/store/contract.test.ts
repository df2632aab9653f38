import { pgliteDatabase, sqliteDatabase } from './databases.ts';
import { storeContract } from './contract.ts';

storeContract('SQLite', sqliteDatabase);
storeContract('pglite', pgliteDatabase);
