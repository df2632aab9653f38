import js from '@eslint/js';
import tseslint from 'typescript-eslint';

export default tseslint.config(
  { ignores: ['node_modules', 'data', 'coverage'] },
  js.configs.recommended,
  ...tseslint.configs.recommended,
  {
    files: ['**/*.ts'],
    rules: {
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', ignoreRestSiblings: true }],
      eqeqeq: 'error',
      'no-console': 'error',
    },
  },
  {
    files: ['src/cli/**', 'src/chat.ts', 'src/main.ts', 'src/serve.ts', 'tests/bench/**', 'tests/faults/**'],
    rules: { 'no-console': 'off' },
  },
  {
    files: ['src/edges/counter/public/*.js'],
    languageOptions: {
      globals: Object.fromEntries(
        [
          'document',
          'crypto',
          'fetch',
          'navigator',
          'location',
          'FormData',
          'URLSearchParams',
          'EventSource',
          'DOMParser',
        ].map((name) => [name, 'readonly']),
      ),
    },
  },
  {
    files: ['src/**/*.ts'],
    ignores: ['src/core/**'],
    rules: {
      'no-restricted-syntax': [
        'error',
        {
          selector:
            "CallExpression[callee.property.name='transaction'] > :function MemberExpression > Identifier.object[name=/^(store|outer)$/]",
          message: 'Inside a transaction only its own handle reaches the database: the store would wait for itself.',
        },
      ],
    },
  },
  {
    files: ['src/core/**/*.ts'],
    rules: {
      'no-restricted-globals': [
        'error',
        { name: 'process', message: 'The core knows no process: what it needs comes in as a value.' },
        { name: 'fetch', message: 'The core knows no network.' },
        { name: 'setTimeout', message: 'The core knows no clock.' },
      ],
      'no-restricted-properties': [
        'error',
        { object: 'Date', property: 'now', message: 'The core reads no clock: time comes in as a value.' },
        { object: 'DateTime', property: 'now', message: 'The core reads no clock: time comes in as a value.' },
        { object: 'DateTime', property: 'local', message: 'The core reads no clock: time comes in as a value.' },
        { object: 'Math', property: 'random', message: 'The core knows no chance: identifiers come in as values.' },
      ],
    },
  },
);
