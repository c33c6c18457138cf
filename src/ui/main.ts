import { mount } from 'svelte'
import { EMPTY_DESK } from '../shelf/desk.ts'
import { ShelfStore } from '../shelf/store.ts'
import App from './App.svelte'
import './language.ts'
import './look/look.css'
import { laySheet } from './look/sheet-choice.ts'

const target = document.getElementById('app')
if (!target) throw new Error('the page has no place for the app')

const store = new ShelfStore()
const first = await store.load()
// Before the first drawing, so that nothing flashes in the other colours.
laySheet((first.kind === 'read' ? first.loaded.desk : EMPTY_DESK).sheet)
mount(App, { target, props: { store, first } })
