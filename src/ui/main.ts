import { mount } from 'svelte'
import { ShelfStore } from '../shelf/store.ts'
import App from './App.svelte'
import './look/look.css'

const target = document.getElementById('app')
if (!target) throw new Error('the page has no place for the app')

const store = new ShelfStore()
mount(App, { target, props: { store, loaded: await store.load() } })
